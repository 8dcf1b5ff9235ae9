"""Cost models, one TOML file a CPU; README.md explains every key and how to write one's own."""
