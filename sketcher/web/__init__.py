"""How is she sketched in the browser: one server on this machine, one boat, the same named edits as everywhere?

Way in: `app.serve`. A message goes from `server` to `controller` and on to its handler in `handlers`, which acts on the
`logic.workspace`; what the page then shows is made by `page`, from markup of `ui` and pictures of `view`. `ui` and `logic` know
nothing of each other, and `view` knows neither.
"""
