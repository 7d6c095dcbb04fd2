"""Who may come in: host and origin, sessions, passwords."""
