package job

// Ids are never used again after a delete, so that undo and mends can refer to them.
type (
	// ItemID names an item within its job.
	ItemID uint32
	// LayerID names a layer within its job.
	LayerID uint32
	// GroupID names an opacity group within its item; 0 is none.
	GroupID uint32
	// SheetID names a sheet within its job.
	SheetID uint32
)
