"""The moving figure and its markers for other programs."""
