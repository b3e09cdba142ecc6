"""Two evaluators that know nothing of the engine: plain Python, and rules run by CLIPS."""
