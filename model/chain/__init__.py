"""The chain from the planted feet to the head, solved for any number of moments at once."""
