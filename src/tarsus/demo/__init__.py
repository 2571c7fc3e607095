"""The invented park: Wendlebrook Bird Garden, whole or small, as plain values."""

from tarsus.demo.wendlebrook import demo_park, small_park

__all__ = ["demo_park", "small_park"]
