"""The log sheet's geometry in millimetres, its identity and its bubbles; printer and reader share it."""
