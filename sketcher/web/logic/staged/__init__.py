"""After which step of the refit is she shown?

Way in: `shown_stage.ShownStage`.

Decided, and what would change it:

- A stage is a way of looking: edits go into the whole layout, and while something is dragged all of it is shown, so that what
  the hand moves is seen with everything that stands in its way. Would change: owners who plan each step in a file of its own.
- She is worked out beside the page, as she was a moment before until then: an edit is not held up by a view of it.
"""
