"""One sheet to take home: where the head goes now and after, one feel, how to check it, why, and the cautions."""
