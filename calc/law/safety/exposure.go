package safety

import (
	"gallipot/calc/law/rows"
)

// Exposure is one row of published consumer exposure.
//
// Source: exposure.csv; most rows follow the SCCS Notes of Guidance. A nil
// figure is not stated and must not be read as zero. A row without a source says
// that no published amount was found; its skin area names its source in BodyArea.
type Exposure struct {
	rows.Row
	ProductType string // name in the source
	Group       string // body-wash, leave-on face, …
	RinseOff    string // yes, no or mixed

	DailyG         *rows.Figure // amount of product applied, g/d
	RelativeDaily  *rows.Figure // the same for body weight, mg/kg bw/d
	PerDay         *rows.Figure // applications a day
	Retention      *rows.Figure // retention factor, 0 to 1
	ExposureG      *rows.Figure // daily exposure to the product, g/d
	RelativeMgKg   *rows.Figure // daily exposure to the product, mg/kg bw/d, as printed
	SkinSurfaceCM2 *rows.Figure // skin area treated, cm²
	BodyArea       string
	// PopulationMean says that the amount is a mean over a population, users and
	// others, and no upper percentile.
	PopulationMean bool
}

var ExposureColumns = rows.Columns{Meaning: []string{"key", "product_type", "group", "rinse_off",
	"daily_amount_g", "relative_daily_amount_mg_per_kg_bw", "frequency_per_day", "retention_factor",
	"daily_exposure_g", "relative_daily_exposure_mg_per_kg_bw", "skin_surface_area_cm2", "population_mean", "seen"},
	Remarks: []string{"body_area", "source", "note"}}

func ReadExposure(file string, text string) ([]*Exposure, error) {
	return rows.ReadTable(file, text, ExposureColumns, func(r *rows.Record) *Exposure {
		r.Table.Sourceless = true // a row may say that no figure was found
		e := &Exposure{
			Row: r.Head(r.Text("key")), ProductType: r.Must("product_type"), Group: r.Must("group"),
			RinseOff: r.Word("rinse_off", "yes", "no", "mixed"),
			DailyG:   r.Figure("daily_amount_g"), RelativeDaily: r.Figure("relative_daily_amount_mg_per_kg_bw"),
			PerDay: r.Figure("frequency_per_day"), Retention: r.Figure("retention_factor"),
			ExposureG:      r.Figure("daily_exposure_g"),
			RelativeMgKg:   r.Figure("relative_daily_exposure_mg_per_kg_bw"),
			SkinSurfaceCM2: r.Figure("skin_surface_area_cm2"), BodyArea: r.Text("body_area"),
			PopulationMean: r.Mark("population_mean"),
		}
		if f := e.Retention; f != nil && (f.Value < 0 || f.Value > 1) {
			r.Fail("retention_factor %s is not between 0 and 1", f.Text)
		}
		if e.Source == "" && (e.DailyG != nil || e.ExposureG != nil || e.RelativeMgKg != nil) {
			r.Fail("an amount stands without a source")
		}
		return e
	})
}
