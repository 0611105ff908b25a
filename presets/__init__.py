"""Named addresses and swings as TOML, each with a line on what it shows."""
