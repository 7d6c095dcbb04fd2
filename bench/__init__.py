"""Speed beside other ways of doing the same, in one run."""
