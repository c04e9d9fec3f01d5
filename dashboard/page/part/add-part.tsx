/*
 * Where a part comes from: a model file that is chosen or dropped, the demonstration bell, or no model at all. Shows how far a file was
 * read, lets it be cancelled, and says why one was not taken. The file stays in this browser.
 */
import { addPart } from './bath-parts.js';
import { cancelReading, makeBell, readFile, reading, unread } from './reading.js';
import { readingShare, readingWords } from '../words/part-words.js';
import { WithoutModel } from './without-model.js';

export function takeFiles(files: Iterable<File>): void {
  for (const file of files)
    readFile(file, (model) => {
      addPart(nameOf(file.name), { kind: 'model', model });
    });
}

/** Example: "fluted-bell.stl" is "fluted-bell". */
function nameOf(file: string): string {
  return file.replace(/\.(stl|obj|3mf)$/i, '') || file;
}

export function AddPart(props: { isFirst: boolean }) {
  const now = reading.value;
  const refused = unread.value;
  return (
    <div class="add-part">
      <div class="drop-place" data-first={props.isFirst || undefined}>
        <div class="row">
          <label class="file-button">
            <input
              type="file"
              accept=".stl,.obj,.3mf,model/stl,model/obj,model/3mf"
              multiple
              onChange={(event) => {
                takeFiles([...(event.currentTarget.files ?? [])]);
                // The same file chosen again is an event again.
                event.currentTarget.value = '';
              }}
            />
            <span>Choose a model file</span>
          </label>
          <button
            type="button"
            class="quiet"
            onClick={() =>
              makeBell((model) => {
                addPart('Fluted bell lampshade', { kind: 'model', model });
              })
            }
          >
            Try the demonstration bell
          </button>
        </div>
        <p class="hint">Or drop it here: STL, OBJ or 3MF. It is read in this browser and sent nowhere.</p>
      </div>
      {now !== null && (
        <div class="reading">
          <label>
            <span role="status">{readingWords(now)}</span>
            <progress max={1} value={readingShare(now)} />
          </label>
          <button type="button" class="plain" onClick={cancelReading}>
            Cancel
          </button>
        </div>
      )}
      <div role="alert" class="refusal">
        {refused !== null && (
          <p>
            <strong>{refused.name} was not taken.</strong> {refused.message}
            {!props.isFirst && ' What was there before is untouched.'}
          </p>
        )}
      </div>
      <WithoutModel />
    </div>
  );
}
