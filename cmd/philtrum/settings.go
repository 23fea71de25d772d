package main

import (
	"fmt"
	"strings"

	"github.com/spf13/viper"

	"philtrum/forms/source"
)

// settings are the few choices that are not the clinic's record: how the tool speaks and prints. They come
// from flags over environment over defaults. Nothing clinical is among them; rules and windows are read
// from the clinic's own files only, so that no shell can bend them.
type settings struct {
	Clinic   string `mapstructure:"clinic"`   // folder of the clinic
	Language string `mapstructure:"language"` // in which the tool speaks
	Page     string `mapstructure:"page"`     // A4 or Letter, over the clinic's own choice
}

// settingKeys are the only keys that the environment may set, as PHILTRUM_CLINIC and so on; clinicKeys those
// that the clinic may, under "settings" in clinic.yaml.
var (
	settingKeys = []string{"clinic", "language", "page"}
	clinicKeys  = []string{"language", "page"}
)

// readSettings merges defaults, the clinic's settings (nil before they are known) and the environment; flags
// are merged over them by the commands.
func readSettings(w world, clinic map[string]any) (settings, error) {
	v := viper.New()
	for _, key := range settingKeys {
		v.SetDefault(key, "")
		if value, ok := w.environment("PHILTRUM_" + strings.ToUpper(key)); ok {
			v.Set(key, value)
		}
	}
	if err := v.MergeConfigMap(clinic); err != nil {
		return settings{}, fmt.Errorf("settings: %w", err)
	}
	var s settings
	if err := v.UnmarshalExact(&s); err != nil {
		return settings{}, fmt.Errorf("settings: %w", err)
	}
	return s, nil
}

// addClinic merges what the clinic has set below what flags and environment have.
func (s *session) addClinic(node *source.Node) source.Problems {
	if node == nil || node.Kind == source.Empty {
		return nil
	}
	reader := &source.Reader{}
	fields := reader.Fields(node, clinicKeys...)
	set := map[string]any{}
	for _, key := range clinicKeys {
		if value := reader.Text(fields.Get(key)); value != "" {
			set[key] = value
		}
	}
	if problems := reader.Problems(); len(problems) > 0 {
		return problems
	}
	merged, err := readSettings(s.world, set)
	if err != nil {
		return source.Problems{{ID: "problem.expected_mapping", Span: node.Span}}
	}
	if s.settings.Language == "" {
		s.settings.Language = merged.Language
	}
	if s.settings.Page == "" {
		s.settings.Page = merged.Page
	}
	return nil
}
