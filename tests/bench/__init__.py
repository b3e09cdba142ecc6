"""Speed, side by side with CLIPS in the same run."""
