"""What a classifier of faults made of a data set."""
