"""The counter, in plain words: wishes become goals of the search, and what it finds becomes three answers."""
