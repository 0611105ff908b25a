"""A page served on this computer, in which a swing changes while its sliders are dragged."""
