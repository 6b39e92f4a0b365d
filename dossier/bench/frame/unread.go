package frame

import (
	"path"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// unread reads a file of the workshop and returns what of it cannot be read.
func unread(name string, data []byte, of *workshop.Workshop, laws *table.Tables) (list []finding.Finding) {
	src := source.NewSource(name, data)
	var fs []finding.Finding
	switch path.Dir(name) {
	case ".":
		w := workshop.Workshop{ResponsiblePersons: map[rows.Market]workshop.Party{}}
		fs = w.ReadSettings(src)
	case "ingredients":
		_, fs = ingredients.ReadSheet(src)
	case "products":
		_, fs = workshop.ReadProduct(src, of.Markets, laws)
	case "batches":
		_, fs = workshop.ReadBatch(src)
	}
	for _, f := range fs {
		if f.Unread {
			list = append(list, f)
		}
	}
	return list
}
