"""Pictures and films of swings, with the marks drawn over them."""
