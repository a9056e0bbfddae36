"""How many things of a size go into a shape without overlap, and where does each lie?

Way in: `nesting.nest` on sheets, `cylinders.best_packing` and `largest_box.largest_box` in solids, `heap.heap` poured.
"""
