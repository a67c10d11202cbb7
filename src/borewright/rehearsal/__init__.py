"""The same job against a simulated machine, without metal.

``truth`` is the machine; it shares nothing with the belief it is there to test. ``practice`` sizes bores on it the way
shops do without a program, to be compared with.
"""
