"""Units, cautions, and how pieces and golfers are called."""
