"""A student's feels and films in one file."""
