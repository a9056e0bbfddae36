"""How is she sketched in the browser: one server on this machine, one boat, the same named edits as everywhere?

Way in: `app.serve`. A message goes from `server` to `controller` and on to its handler in `handlers`, which acts on the
`logic.workspace`; what the page then shows is made by `page`, from markup of `ui` and pictures of `view`. `ui` and `logic` know
nothing of each other, and `view` knows neither.

Decided, and what would change it:

- aiohttp and plain ES modules, no web framework: the one tried first needs `unsafe-eval`, lets a client write any state key and
  sends tracebacks to it. Markup is built by typed Python and morphed in the page; each turn is one message with the parts that
  changed and the newest picture. Would change: a page that needs a widget library.
- 25 pictures a second at most; the next is drawn while the last is shown, since two cores share drawing and figures.
- Pictures are drawn by a thread of their own, since VTK lets Python run while it renders: the page's parts are worked out
  meanwhile, then the figures of the next picture, as late as the last ones took, so that it shows the newest place of the hand.
  A picture that waits for the browser is sent first.
- Products of matrices use one thread: these have three columns, and a second thread only takes the core from the drawing.
- Beyond the loopback each browser uses up a one-time key, and the next is printed.
- What is read (findings, the bar, the list of parts, the drawings' key) follows a moving hand three times a second, what is
  watched always; patterns take half the time at most. Would change: a pattern within a light step.
"""
