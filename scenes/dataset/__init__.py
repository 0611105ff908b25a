"""Labelled data sets: drawn golfers, swings and cameras, photographed, labelled, checked and scored."""
