"""A stranger's pose detector looks at the project's own pictures; docs/detector.md says how and what it found."""
