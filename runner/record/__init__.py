"""What is kept? The journal on disk, keys and signatures, the seal, verification."""
