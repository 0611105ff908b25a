"""Detector: what finds a golfer's keypoints in films, in an environment and a process of its own."""
