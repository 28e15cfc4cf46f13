//! Drum section with holes: which grains leave the drum, and how soon.
