"""Scans made of the demo hulls, and what came of them against those."""
