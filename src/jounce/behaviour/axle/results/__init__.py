"""The geometric results of an axle in a batch of states, one module for each thing that is looked at.

Each function takes a `reading.Reading` and gives values by the quantity's name in the table of quantities; NaN stands
where a quantity does not exist in a state. What a layout cannot have at all is left out.
"""
