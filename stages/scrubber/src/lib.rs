//! Drum section with a closed shell, where clay lumps wear and free their gold.
