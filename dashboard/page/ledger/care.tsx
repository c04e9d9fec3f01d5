/* What must stand where somebody is told to mix or to draw off: short, and never instead of the safety data sheet. */

export function MixingCare() {
  return (
    <p class="care-words">
      Acid into water, slowly and stirred, never water into acid: it boils and spits. No current, no part in the bath.
      Goggles, gloves, apron, water to rinse at hand; not alone. Your own safety data sheets and local rules come first.
    </p>
  );
}

export function WasteCare() {
  return (
    <p class="care-words">
      What is drawn off, filtered or scraped off is hazardous waste, very toxic to water life: collect it, label it,
      hand it over. Never the drain; your local rules decide.
    </p>
  );
}
