package heat

// Rating is the rating that the coil was made with, its usual values filled in.
func (c *Coil) Rating() CoilRating { return c.rating }
