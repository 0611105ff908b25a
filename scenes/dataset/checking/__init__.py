"""Whether a data set is whole and its labels true."""
