"""Files written whole or not at all, progress, interruption, the terminal."""
