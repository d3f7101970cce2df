"""Pictures as coordinates: numbers in, places of strokes and words out.

Each result is placed by the SVG template of the same name.
"""

__all__ = ["bars", "control", "funnel", "intervals", "spine", "strip"]
