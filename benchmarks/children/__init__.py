"""Virtual children of many kinds, the rules that advise them, and what each rule brought.

Everything here is simulation: it says how well a method does what it claims where the truth is known,
and nothing about real children. The children are written without a look at the engine's equations.
"""
