package clinic

import "testing"

func BenchmarkReadSettings(b *testing.B) {
	for b.Loop() {
		if _, problems := readSettings("policy.yaml", policyFile); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
