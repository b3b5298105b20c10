"""The same trees in Pinocchio (`pin`): one single-axis joint for each coordinate."""

import numpy as np
import pinocchio as pin

VERSION = pin.__version__


class Engine:
    def __init__(self, head, tree):
        """Joints are added depth first, as Pinocchio's subtrees want them; `order` maps them to ours."""
        self.model = pin.Model()
        self.model.gravity = pin.Motion(np.array(head["gravity"]), np.zeros(3))
        segments, joints = tree["segments"], head["joints"]
        n = len(joints)
        self.joint_of = [None] * n
        self.last = [None] * len(segments)
        self.order = []

        def add(s):
            segment = segments[s]
            parent = 0 if segment["parent"] is None else self.last[segment["parent"]]
            place = pin.SE3(np.eye(3), np.array(segment["offset"]))
            for i in [i for i in range(n) if joints[i]["segment"] == s]:
                axis = np.array(joints[i]["axis"])
                slides = joints[i]["slides"]
                kind = pin.JointModelPrismaticUnaligned if slides else pin.JointModelRevoluteUnaligned
                parent = self.model.addJoint(parent, kind(axis), place, joints[i]["name"])
                self.joint_of[i] = parent
                self.order.append(i)
                place = pin.SE3.Identity()
            inertia = pin.Inertia(segment["mass"], np.array(segment["centre"]), np.array(segment["inertia"]))
            self.model.appendBodyToJoint(parent, inertia, pin.SE3.Identity())
            self.last[s] = parent
            for child, other in enumerate(segments):
                if other["parent"] == s:
                    add(child)

        add(0)
        self.data = self.model.createData()
        self.centres = [np.array(segment["centre"]) for segment in segments]

    def theirs(self, values):
        return np.array(values)[self.order]

    def ours(self, columns):
        """Puts the last axis back into our order."""
        out = np.empty_like(columns)
        out[..., self.order] = columns
        return out

    def results(self, state):
        model, data = self.model, self.data
        q, v, a = (self.theirs(state[k]) for k in "qva")
        pin.centerOfMass(model, data, q, v, a)
        out = {
            "centres": [data.oMi[j].act(c) for j, c in zip(self.last, self.centres)],
            "centre_of_mass": data.com[0].copy(),
            "centre_of_mass_velocity": data.vcom[0].copy(),
            "centre_of_mass_acceleration": data.acom[0].copy(),
        }
        out["energies"] = [
            pin.computeKineticEnergy(model, data, q, v),
            pin.computePotentialEnergy(model, data, q),
        ]
        out["torques"] = self.ours(pin.rnea(model, data, q, v, a))
        wrench = state["wrench"]
        force, point = np.array(wrench["force"]), np.array(wrench["point"])
        about_floor = pin.Force(force, np.cross(point, force) + np.array(wrench["couple"]))
        outside = [pin.Force.Zero() for _ in range(model.njoints)]
        joint = self.last[wrench["segment"]]
        outside[joint] = data.oMi[joint].actInv(about_floor)
        out["torques_when_pushed"] = self.ours(pin.rnea(model, data, q, v, a, outside))
        matrix = pin.crba(model, data, q)
        matrix = np.triu(matrix) + np.triu(matrix, 1).T
        out["mass_matrix"] = self.ours(self.ours(matrix).T)
        out["centre_of_mass_jacobian"] = self.ours(pin.jacobianCenterOfMass(model, data, q)).T
        pin.computeJointJacobians(model, data, q)
        forearm = pin.getJointJacobian(model, data, self.last[11], pin.LOCAL_WORLD_ALIGNED)
        forearm = self.ours(forearm)
        out["elbow_jacobian"], out["forearm_turning"] = forearm[:3].T, forearm[3:].T
        return out
