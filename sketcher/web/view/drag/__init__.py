"""Which part of the picture must be drawn anew while a hand moves something?

Way in: `page_stage.PageStage`. It is there for speed alone; `tests/benchmarks/page_frames.py` measures it.

Decided, and what would change it:

- While the camera stays only what changed is drawn anew, by a viewport about it: where boards came or went, by their planes, if
  the space's corners elsewhere are as they were; else the whole space. A still picture is always drawn whole.
- What is drawn in part differs from the whole by rounding only (a test).
"""
