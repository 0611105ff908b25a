"""Where a figure is drawn: OpenGL, camera, ground, shadow, depth and ids."""
