"""What do the rows of a table that an owner or a drawing office wrote say: of a hull, or of boards as they were built?

Way in: `tape_table.read_tape_table`; `offsets_table` for printed lines, `as_built_table` for readings.
"""
