package workshop

// BesideFigures are the keys of a product file that no figure depends on and that
// no assessor judges: records made after the figures, decisions, pictures, the notices, and the size of
// the printed label. What a label says, how a pack is given away and why it bears no
// period after opening stay in; so does whatever is in doubt.
var BesideFigures = []string{"assessments", "decisions", "costs", "pictures", "complaints", "sold", "notifications", "first_placed_in",
	"label.shape", "label.width_mm", "label.height_mm", "label.min_type_mm", "label.margin_mm", "label.overlap_mm", "label.sheet", "label.e_mark"}
