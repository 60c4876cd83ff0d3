"""What `benchmarks/pipeline.py` measures, a module for each figure; each runs by itself, so that none warms another."""
