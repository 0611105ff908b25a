"""How a data set lies on the disk: what a picture's label says, the archives, and the tables beside them."""
