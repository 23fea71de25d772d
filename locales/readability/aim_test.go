package readability

import "testing"

// Every aim names a formula of its language, and what is easier than it reaches it.
func TestAims(t *testing.T) {
	for language, aim := range aims {
		formula, ok := ByID(aim.Formula)
		if !ok || formula.Language != language {
			t.Errorf("%s: no formula %q", language, aim.Formula)
		}
		easier, harder := aim.Paper-1, aim.Paper+1
		if formula.Ease {
			easier, harder = harder, easier
		}
		if !aim.Met(Result{Score: easier, Ease: formula.Ease}) || aim.Met(Result{Score: harder, Ease: formula.Ease}) {
			t.Errorf("%s: the aim is on the wrong side", language)
		}
	}
	if _, ok := AimOf("ar"); ok {
		t.Error("an aim without a formula")
	}
	if r := ByAim("es-ES", "Hoy llueve mucho.", nil); r.Formula != "fernandez-huerta" || len(r.Worst) != 1 {
		t.Errorf("%+v", r)
	}
	if r := ByAim("ar", "كلمة أخرى.", nil); r.Formula != "" || r.Words != 2 {
		t.Errorf("%+v", r)
	}
}
