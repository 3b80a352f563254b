"""The open plan: document, history, selection and recovery. Qt-free."""
