"""Read: from the tracks of one or two films to the pieces that moved the head."""
