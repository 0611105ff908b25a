"""The two views that coaches film, the one from above, and the swing shown in them."""
