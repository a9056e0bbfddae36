"""What does a person's action do to the boat, the files and what is looked at?

Way in: `workspace.Workspace` joins the parts; `session.Session` holds the scene, each other module is one kind of action.

Decided, and what would change it:

- An edit that leaves nothing of a panel in the hull is refused on the page; undo, recovery and files are not. Would change:
  owners who park panels outside.
- The build folder is made by the command in a process of its own, from the saved file, and downloaded: VTK stays off threads
  and no path comes from the page. Would change: owners who want it beside the scene.
- A layout kept as B lives as long as the program: "Save as" keeps one. What is compared and outlined waits for rest, since it
  takes tenths of a second. Would change: owners who come back to B another day.
- Keep first, reckon after: a wanted scene goes beside the file before its figures, and is withdrawn if refused.
"""
