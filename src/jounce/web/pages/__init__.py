"""One file per page: each takes what was asked and answers with a page."""
