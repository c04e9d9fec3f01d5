/* Asks the dashboard what would come of a recipe, a moment after each change of the form. Used by the recipe form; sends nothing to a bath. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { RecipePreview, Refusal } from '@bathkeeper/shared-core/messages';
import { previewRecipe } from '../state/api.js';
import { type RecipeForm, recipeRequest } from './request.js';

/** Long enough not to ask at every key, short enough to feel alive. */
const PREVIEW_AFTER_MS = 250;

/** null while the form cannot be read, or the dashboard has not answered; `refused` is told of each answer. */
export function usePreview(
  controllerId: string,
  form: RecipeForm,
  refused: (refusal: Refusal | null) => void,
): RecipePreview | null {
  const [preview, setPreview] = useState<RecipePreview | null>(null);
  const newest = useRef(0);
  useEffect(() => {
    const turn = (newest.current += 1);
    const read = recipeRequest(form);
    if ('problems' in read) {
      setPreview(null);
      return;
    }
    const abort = new AbortController();
    const timer = setTimeout(() => {
      void previewRecipe(controllerId, read.request, abort.signal).then((answer) => {
        if (turn !== newest.current || abort.signal.aborted) return;
        setPreview(answer.ok ? answer.value : null);
        refused(answer.ok ? null : answer.refusal);
      });
    }, PREVIEW_AFTER_MS);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [form, controllerId]);
  return preview;
}
