"""How much of where the head went each piece did."""
