package law

// Exposure is one row of published consumer exposure.
//
// Source: exposure.csv; most rows follow the SCCS Notes of Guidance. A nil
// figure is not stated and must not be read as zero. A row without a source says
// that no published amount was found; its skin area names its source in BodyArea.
type Exposure struct {
	Row
	ProductType string // name in the source
	Group       string // body-wash, leave-on face, …
	RinseOff    string // yes, no or mixed

	DailyG         *Figure // amount of product applied, g/d
	RelativeDaily  *Figure // the same for body weight, mg/kg bw/d
	PerDay         *Figure // applications a day
	Retention      *Figure // retention factor, 0 to 1
	ExposureG      *Figure // daily exposure to the product, g/d
	RelativeMgKg   *Figure // daily exposure to the product, mg/kg bw/d, as printed
	SkinSurfaceCM2 *Figure // skin area treated, cm²
	BodyArea       string
}

var exposureColumns = columns{meaning: []string{"key", "product_type", "group", "rinse_off", "daily_amount_g", "relative_daily_amount_mg_per_kg_bw", "frequency_per_day", "retention_factor", "daily_exposure_g", "relative_daily_exposure_mg_per_kg_bw", "skin_surface_area_cm2", "seen"},
	remarks: []string{"body_area", "source", "note"}}

func readExposure(file string, data []byte) ([]*Exposure, error) {
	return readTable(file, data, exposureColumns, func(r *record) *Exposure {
		r.table.sourceless = true // a row may say that no figure was found
		e := &Exposure{
			Row: r.head(r.text("key")), ProductType: r.must("product_type"), Group: r.must("group"),
			RinseOff: r.word("rinse_off", "yes", "no", "mixed"),
			DailyG:   r.figure("daily_amount_g"), RelativeDaily: r.figure("relative_daily_amount_mg_per_kg_bw"),
			PerDay: r.figure("frequency_per_day"), Retention: r.figure("retention_factor"), ExposureG: r.figure("daily_exposure_g"),
			RelativeMgKg:   r.figure("relative_daily_exposure_mg_per_kg_bw"),
			SkinSurfaceCM2: r.figure("skin_surface_area_cm2"), BodyArea: r.text("body_area"),
		}
		if f := e.Retention; f != nil && (f.Value < 0 || f.Value > 1) {
			r.fail("retention_factor %s is not between 0 and 1", f.Text)
		}
		if e.Source == "" && (e.DailyG != nil || e.ExposureG != nil || e.RelativeMgKg != nil) {
			r.fail("an amount stands without a source")
		}
		return e
	})
}
