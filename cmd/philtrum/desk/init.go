package desk

import (
	_ "embed"
	"errors"
	"fmt"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/clinic"
)

//go:embed staff.yaml
var staffFile []byte

//go:embed products.yaml
var productsFile []byte

// ErrZone says that there is no time zone of that name.
var ErrZone = errors.New("no such time zone")

// Start is what a new clinic folder has to know.
type Start struct{ Place, Zone, Language string }

// Init makes a clinic folder at path: the clinic's files with every default and its reason, and a journal
// whose first entry is the clinic's own beginning. A folder that holds a clinic is left as it is.
func Init(path string, start Start, words clinic.Words, at time.Time) (*folder.Folder, error) {
	zone, err := time.LoadLocation(start.Zone)
	if err != nil {
		return nil, fmt.Errorf("%w: %s", ErrZone, start.Zone)
	}
	file, err := clinic.DefaultFile(clinic.Clinic{Place: start.Place, Zone: zone, Language: start.Language}, words)
	if err != nil {
		return nil, err
	}
	f, err := folder.Make(path)
	if err != nil {
		return nil, err
	}
	batch := f.Batch(at)
	batch.Create("clinic.yaml", file)
	batch.Create("staff.yaml", staffFile)
	batch.Create("products.yaml", productsFile)
	batch.Enter("clinic", "clinic", digest(file))
	return f, batch.Commit()
}
