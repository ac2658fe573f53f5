"""What a builder wires by: the circuit that was checked, and what is measured before power-up."""
