"""Loading a park that was prepared outside the register, such as the demo's."""
