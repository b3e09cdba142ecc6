"""Laws and faults of what is worked out from tape, tracing and scales."""
