package desk

import (
	"philtrum/forms/medicine"
	"philtrum/forms/source"
)

// synonymsFile holds the clinic's own words for medicines: words, and the INN that they stand for.
const synonymsFile = "synonyms.yaml"

// ownWords is a lexicon with the clinic's own words, if it has any.
func (d *Desk) ownWords(lexicon *medicine.Lexicon) (*medicine.Lexicon, source.Problems) {
	if !d.folder.Has(synonymsFile) {
		return lexicon, nil
	}
	data, err := d.folder.Read(synonymsFile)
	if err != nil {
		return nil, source.Problems{{ID: "problem.no_such_file", Span: source.Span{File: synonymsFile}}}
	}
	node, problems := source.Parse(synonymsFile, data)
	if len(problems) > 0 {
		return nil, problems
	}
	reader := &source.Reader{}
	words := medicine.ReadSynonyms(node, reader)
	if problems = reader.Problems(); len(problems) > 0 {
		return nil, problems
	}
	return lexicon.With(words)
}

// Medicine is a medicine by its INN, in any spelling of case and accents.
func (d *Desk) Medicine(inn string) (medicine.Substance, bool) {
	if len(d.load()) > 0 {
		return medicine.Substance{}, false
	}
	return d.lexicon.Find(inn)
}

// NameMedicine keeps words as the clinic's own for a medicine: from now on they are recognised in every visit.
// Words that name another medicine already are a problem.
func (d *Desk) NameMedicine(words, inn string) (source.Problems, error) {
	if problems := d.load(); len(problems) > 0 {
		return problems, nil
	}
	if _, problems := d.lexicon.With([]medicine.Synonym{{Words: words, INN: inn}}); len(problems) > 0 {
		return problems, nil
	}
	batch := d.folder.Batch(d.at)
	if d.folder.Has(synonymsFile) {
		var problems source.Problems
		batch.Update(synonymsFile, func(old []byte) ([]byte, error) {
			edited, found := source.Edit(synonymsFile, old, source.Change{Path: []string{words}, Value: source.Text(inn)})
			if problems = found; len(problems) > 0 {
				return nil, errUnchanged
			}
			return edited, nil
		})
		batch.EnterFile("synonym", "clinic", synonymsFile)
		err := batch.Commit()
		if len(problems) > 0 {
			return problems, nil
		}
		return nil, err
	}
	batch.Create(synonymsFile, source.Write(source.Map(words, inn)))
	batch.EnterFile("synonym", "clinic", synonymsFile)
	return nil, batch.Commit()
}
