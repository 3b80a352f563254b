"""The dialogs that stand behind the port through which the desk asks."""
