"""What a person sees: charts, sliders, reports."""
