"""The two views that coaches film, and the swing shown in them."""
