//! Feed hopper with grizzly: where the ground enters the plant.
