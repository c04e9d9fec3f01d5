/* Every figure of a plan, in groups in the order of the evening's work; each opens to its formula, what went into it, its bounds and its source. */
import {
  type Figure,
  figureGroups,
  figuresOf,
  inWords,
  type Plan,
  type PlanWarning,
  shownWith,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import { FigureReason } from './figure-reason.js';
import { boundsWords } from './figure-words.js';

export function PlanFigureGroups(props: { plan: Plan; units: UnitSystem }) {
  const { plan, units } = props;
  return (
    <>
      {figureGroups.map(({ group, title }) => {
        const figures = figuresOf(plan.figures, group);
        if (figures.length === 0) return null;
        return (
          <section key={group} class="figure-group" aria-labelledby={`group-${group}`}>
            <h2 id={`group-${group}`}>{title}</h2>
            {figures.map(([name, figure]) => (
              <FigureLine
                key={name}
                figure={figure}
                units={units}
                warnings={plan.warnings.filter((warning) => warning.about === name)}
              />
            ))}
          </section>
        );
      })}
    </>
  );
}

function FigureLine(props: { figure: Figure; units: UnitSystem; warnings: readonly PlanWarning[] }) {
  const { figure, units, warnings } = props;
  const bounds = boundsWords(figure, units);
  return (
    <details class="figure" data-warned={warnings.length > 0 || undefined}>
      <summary>
        <span class="figure-name">{figure.label}</span>
        <span class="figure-value">
          <strong>{shownWith(figure.value, figure.unit, units)}</strong>
          {bounds !== undefined && <span class="unit"> {bounds}</span>}
        </span>
      </summary>
      {warnings.map(({ words }) => (
        <p key={words} class="caution">
          {inWords(words, units)}
        </p>
      ))}
      <FigureReason figure={figure} units={units} />
    </details>
  );
}
