"""The nine laws of the engine, as property tests on random rulebases and on the shipped one."""
