package folder

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"

	"philtrum/forms/source"
)

// intentFile holds the batch that is being carried out. It exists only under the journal's lease, or after
// its holder was cut off.
const intentFile = ".intent.json"

// intent is what a batch does, in a form that can be carried out twice.
type intent struct {
	Steps []intentStep `json:"steps"`
	Lines []string     `json:"lines"` // of the journal
}

type intentStep struct {
	Name   string `json:"name"`
	Staged string `json:"staged"` // in the same folder
	Old    string `json:"old"`    // digest of what it replaces; empty: nothing
	New    string `json:"new"`
}

// intend writes the intent: with its rename the batch has happened.
func (f *Folder) intend(plan intent) error {
	data, err := json.Marshal(plan)
	if err != nil {
		return fmt.Errorf("batch: %w", err)
	}
	return f.disk.replace(f.Join(intentFile), data)
}

// intended reads the intent; found is false if there is none.
func (f *Folder) intended() (plan intent, found bool, err error) {
	data, err := os.ReadFile(f.Join(intentFile))
	if errors.Is(err, fs.ErrNotExist) {
		return plan, false, nil
	}
	if err == nil {
		err = json.Unmarshal(data, &plan)
	}
	if err != nil {
		return plan, false, fmt.Errorf("batch: %w", err)
	}
	return plan, true, nil
}

// beginning says whether the batch that was to make the clinic was cut off.
func (f *Folder) beginning() bool {
	plan, found, err := f.intended()
	return err == nil && found && slices.ContainsFunc(plan.Steps, func(s intentStep) bool { return s.Name == clinicFile })
}

// recover completes the batch that its holder could not. The journal's lease is l.
func (f *Folder) recover(l *lease) error {
	plan, found, err := f.intended()
	if err != nil || !found {
		return err
	}
	return f.carryOut(plan, l)
}

// carryOut renames, appends and removes the intent; what was done already stays done. If the journal's
// lease was lost on the way, its new holder has done the rest.
func (f *Folder) carryOut(plan intent, l *lease) error {
	for _, step := range plan.Steps {
		if err := f.carryOutStep(step); err != nil {
			return err
		}
	}
	flushed := ""
	for _, step := range plan.Steps { // in the order of their names: a visit's papers lie in one folder
		if dir := path.Dir(step.Name); dir != flushed {
			flush(f.Join(dir))
			flushed = dir
		}
	}
	if !l.held() {
		return nil
	}
	if err := f.appendLines(plan.Lines); err != nil {
		return err
	}
	if err := f.disk.remove(f.Join(intentFile)); err != nil {
		return fmt.Errorf("batch: %w", err)
	}
	flush(f.path)
	return nil
}

func (f *Folder) carryOutStep(step intentStep) error {
	if err := f.within(step.Name); err != nil {
		return err
	}
	if step.Staged != path.Base(step.Staged) {
		return refuse(ErrName, source.Problem{ID: "problem.id_form"})
	}
	staged := f.Join(path.Join(path.Dir(step.Name), step.Staged))
	if _, err := os.Lstat(staged); errors.Is(err, fs.ErrNotExist) {
		return nil // renamed before the cut
	}
	now := ""
	if data, err := f.Read(step.Name); err == nil {
		now = digest(data)
	} else if !errors.Is(err, ErrNoFile) {
		return err
	}
	if now != step.Old && now != step.New {
		// Between the cut and now somebody wrote the file without a lease. Theirs stays, ours too.
		aside := step.Name + ".aside"
		f.notices.add(source.Problem{ID: "problem.set_aside", Args: map[string]any{"file": aside},
			Span: source.Span{File: step.Name}})
		return f.disk.rename(staged, f.Join(aside))
	}
	return f.disk.rename(staged, f.Join(step.Name))
}
