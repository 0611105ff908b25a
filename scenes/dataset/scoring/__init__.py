"""What a detector or a classifier made of a data set."""
