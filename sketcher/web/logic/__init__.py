"""What does a person's action do to the boat, the files and what is looked at?

Way in: `workspace.Workspace` joins the parts; `session.Session` holds the scene, each other module is one kind of action.
"""
