"""Rotations, bounded least squares, mixtures: the numerics under the chain."""
