"""How is she sketched in the browser: one server on this machine, one boat, the same named edits as everywhere?

Way in: `app.serve`. A message goes from `server` to `controller` and on to its handler in `handlers`, which acts on the
`logic.workspace`; what the page then shows is made by `page`, from markup of `ui` and pictures of `view`. `ui` and `logic` know
nothing of each other, and `view` knows neither.

Decided, and what would change it:

- aiohttp and plain ES modules, no web framework: the one tried first needs `unsafe-eval`, lets a client write any state key and
  sends tracebacks to it. Markup is built by typed Python and morphed in the page; each turn is one message with the parts that
  changed and the newest picture. Would change: a page that needs a widget library.
- A browser asks for the next picture once one stands on its screen, 60 times a second at most.
- Pictures are drawn by the process's main thread, since some systems allow windows only there, and served by another. VTK lets
  Python run while it renders: the page's parts are worked out meanwhile, then the figures of the next picture, as late as the
  last ones took, so that it shows the newest place of the hand. A picture that waits for the browser is sent first.
- Of what is dragged only what is watched is worked out for each picture: spaces, litres, berths. All other figures follow from a
  thread of their own and are faint until then, and so are the drawings that wait. Would change: figures within 5 ms.
- Products of matrices use one thread: these have three columns, and a second thread only takes the core from the drawing.
- Beyond the loopback each browser uses up a one-time key, and the next is printed.
- What is read (findings, the bar, the list of parts, the drawings' key) follows a moving hand three times a second, what is
  watched always; patterns take half the time at most. Would change: a pattern within a light step.
"""
