package journal

import "slices"

// Words that this program gives a meaning of its own when it verifies a folder.
const (
	Edited    = "edited"    // the subject's file was found changed by other means than a command
	Explained = "explained" // somebody said who edited it, and why
	Amended   = "amended"   // a value of a record was corrected; the old one stays in the file
	Closed    = "closed"    // from here on an edit by hand wants an explanation
	Issued    = "issued"    // the subject is a paper, the digest of its file
	Filed     = "filed"     // the papers entered just before belong to this visit
	Sealed    = "sealed"    // the subject is a sealed file
	Witnessed = "witnessed" // the sealed file entered just before is of this visit, as it was
	Forgotten = "forgotten" // the subject was deleted for good
	Kept      = "kept"      // the subject is a scan or photograph, the digest of its file
	Attached  = "attached"  // pages of the files kept just before were put to this visit
)

// elsewhere are the words whose digest is not of the file of the patient or visit that they name.
var elsewhere = []string{Issued, Sealed, "held", "released", "copied", Forgotten, Kept, "tray"}

// OfOwnFile says whether an entry's digest is that of its subject's own file: patients/<id>.yaml or visit.yaml.
func (e Entry) OfOwnFile() bool { return e.Digest != "" && !slices.Contains(elsewhere, e.What) }
