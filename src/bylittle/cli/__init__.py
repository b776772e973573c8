"""The command line, one module a verb, loaded when asked for."""
