/* The routes of what is kept: check, backups, room on the disk. Mounted below /api, behind the door. */
import { Router } from 'express';
import type { Dashboard } from '../dashboard.js';
import { Refused } from './refusal.js';

export function keepingRoutes({ keeping }: Dashboard): Router {
  const router = Router();
  const noSuch = (name: string): Refused =>
    new Refused(404, `There is no backup ${name} on this computer. Look at the list of backups again.`);
  router.get('/keeping', (_request, response) => {
    response.json(keeping.view());
  });
  router.post('/keeping/check', (_request, response) => {
    void keeping.checkStore();
    response.json(keeping.view());
  });
  router.post('/keeping/backups', (_request, response) => {
    void keeping.backUp();
    response.json(keeping.view());
  });
  router.get('/keeping/backups/:name', (request, response) => {
    const { name } = request.params;
    const file = keeping.folder.fileOf(name);
    if (file === undefined) throw noSuch(name);
    // A data folder may lie below one whose name begins with a dot.
    response.download(file, name, { dotfiles: 'allow' });
  });
  router.delete('/keeping/backups/:name', (request, response) => {
    const { name } = request.params;
    if (!keeping.folder.takeAway(name)) throw noSuch(name);
    response.json(keeping.view());
  });
  return router;
}
