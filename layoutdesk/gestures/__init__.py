"""Pointer and typed values, in plan units, to a preview or an edit. Qt-free."""
