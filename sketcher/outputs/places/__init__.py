"""What becomes of her figures where a part goes? Sweeps as tables, curves and maps.

Way in: `sweep_table.sweep_report`, `sweep_curves.sweep_curves`, `sweep_map.sweep_map`; for the page `range_fields.range_fields`.
"""
