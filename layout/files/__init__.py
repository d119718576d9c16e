"""Files of the person to values of the model, and faults with their place; the only folder that knows YAML."""
