"""The archive: a school's sheets in one database, to be searched, counted and, on request, forgotten."""
