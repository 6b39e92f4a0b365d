package workshop

import "gallipot/ingredients/finding"

// Material is a raw material as a value: by its name where there is a sheet.
func (w *Workshop) Material(id string) finding.Value {
	if s := w.Sheets[id]; s != nil {
		return s.Named()
	}
	return finding.Value{Kind: finding.KindName, Text: id, ID: id}
}

// OnMaterial returns a finding about a raw material.
func (w *Workshop) OnMaterial(f finding.Finding, id string) finding.Finding {
	f.About = w.Material(id)
	f.Subject = f.About.Text
	return f
}

// MaterialValues are raw materials as a list of values.
func (w *Workshop) MaterialValues(ids []string) finding.Values {
	var list finding.Values
	for _, id := range ids {
		list = append(list, w.Material(id))
	}
	return list
}
