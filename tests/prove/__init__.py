"""The proof at full size: the advice compared, its odds held against what came, its belief against samplers."""
